"""What is read from the arrays of a solved machine: plain functions that know no solver."""
