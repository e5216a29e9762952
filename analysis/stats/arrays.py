"""The types of arrays: numbers, places in another array, truths."""

from typing import Any

import numpy as np

Array = np.ndarray[Any, np.dtype[np.float64]]
Codes = np.ndarray[Any, np.dtype[np.intp]]
Flags = np.ndarray[Any, np.dtype[np.bool_]]
