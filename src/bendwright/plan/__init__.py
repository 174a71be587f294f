"""The search: bend order, tools, stations, gauging; every rejection with its reason and its millimetres."""
