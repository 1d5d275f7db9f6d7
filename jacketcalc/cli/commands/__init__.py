"""One module a command; each is imported when it is called."""
