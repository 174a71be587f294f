"""Published and own models on plain numbers, one file per question; every model has a record saying where it comes from."""
