"""Files a person types: YAML text as a tree that knows its lines, its fields read one by one, all complaints at once."""
