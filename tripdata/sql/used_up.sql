SELECT item FROM gear WHERE carried_as = 'consumable'
