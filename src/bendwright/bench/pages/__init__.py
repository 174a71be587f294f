"""What stands on each page, one documented record a page."""
