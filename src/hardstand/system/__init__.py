"""Clock, files, keys and places: what the machine gives."""
