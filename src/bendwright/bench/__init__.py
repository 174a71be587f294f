"""The web bench: the tasks of the person behind a REST interface, and the pages that use nothing else. No arithmetic in here."""
