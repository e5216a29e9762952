"""What every interval here is of, so that all of them can be compared."""

LEVEL = 0.9
"""Chance with which an interval holds the true value; common practice, no published source."""
TAILS = (0.05, 0.95)
"""Quantiles at an interval's ends: (1 - LEVEL) / 2 on either side."""
NINE_IN_TEN_SD = 1.6448536269514722
"""Standard deviations from the middle of a normal law to such an end; NIST/SEMATECH e-Handbook of
Statistical Methods 1.3.6.7.1 has 1.645 (from memory)."""
