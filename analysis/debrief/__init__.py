"""How did one trip go: what it weighed, what was used, what broke, how cold it was.

Gets one trip of the store; answers with facts, changes since the last trip like it, and chores.
"""
