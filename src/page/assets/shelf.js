// shelf
