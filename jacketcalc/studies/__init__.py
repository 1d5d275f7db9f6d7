"""Many machines at once: what follows from varying entries of a case, and which are best."""
