"""What the bench keeps: jobs with their plans, readings from the floor, and who may sign in.

One database by URL: a SQLite file beside the person's work, or PostgreSQL for a whole shop. ``open_store`` brings its
schema up to date; everything else is a method of ``Store`` named after the task. The rules of the room:

- Nothing of the person's is lost: a job is dropped first and purged days later, a changed reading is a new revision.
- Times are aware and in UTC. Texts and data are held against their limits before they are written.
- Whatever the database cannot do leaves as findings (``store.yaml``).
"""
