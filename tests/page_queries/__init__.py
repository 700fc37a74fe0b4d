"""How many queries every page takes: a literal with its reason, and how to make 1, 3 or 30 rows of what it shows."""
