"""Numerics alone: rates, lines, chains and mixtures that know nothing of trips or gear."""
