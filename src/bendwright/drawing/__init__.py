"""Files in and out: part files in; blank drawings out."""
