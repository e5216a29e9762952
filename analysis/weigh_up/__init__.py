"""What does it all weigh?

Gets everything in gear.csv, or what a trip or plan carries at its start, less and plus what is
asked for; answers with exact sums by system, kit, bag, way of carrying and item. It advises
nothing.
"""
