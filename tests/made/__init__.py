"""Picture files for tests, made here byte by byte from the standards, or saved by Pillow and then hurt."""
