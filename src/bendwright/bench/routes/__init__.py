"""The addresses of the interface, one file a subject."""
