"""How a database gets from one schema to the next, step by step."""
