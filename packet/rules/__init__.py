"""Rules of the code as pure functions: entries in, entries and checks out."""
