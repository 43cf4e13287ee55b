"""The figures of the pond wall, one module for each."""
