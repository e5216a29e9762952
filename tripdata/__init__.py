"""Gets what a person wrote into a trustworthy store: contract, reading, checking, store."""
