"""How often is each thing used, and may it be advised against?

Gets what came along and what of it was used; answers with a rate, its interval and a verdict an
item, within rules written down before.
"""
