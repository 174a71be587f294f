"""What a job takes in time and money."""
