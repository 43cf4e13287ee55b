"""Inside image editors: plug-ins for GIMP 3 and Krita, the work that they ask for, and the way there."""
