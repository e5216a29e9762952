"""Is new gear worth buying?

Gets the candidates and what the other rooms say of nights, failures, effort, comfort and what could
stay at home; answers with a case for each: a verdict, the reasons for and against it, and what
would change it.
"""
