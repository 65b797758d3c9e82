"""From the pile to machines: which wishes the stock fulfils, which piece goes where, what is missing, what is left."""
