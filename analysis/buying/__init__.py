"""Is new gear worth buying?

Gets the candidates and what the other rooms say of nights, wear, effort and comfort; answers with a
case for each.
"""
