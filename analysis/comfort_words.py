def swap_reason(swap): return ""
