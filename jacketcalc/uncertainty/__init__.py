"""How sure a verdict is: inputs with uncertainty, samples, ranks, readings of a bench."""
