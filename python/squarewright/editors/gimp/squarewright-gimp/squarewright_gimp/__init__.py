"""The parts of the plug-in for GIMP."""
