"""First article: readings to corrections."""
