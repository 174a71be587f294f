"""Published and own models on plain numbers, one file per question; each has a record saying where it comes from."""
