"""Words typed or sent by a person, read into the records of a job."""
