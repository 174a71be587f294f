"""What would make a part possible that cannot be made as it stands? Each cure is solved again before it is told."""
