"""THE SQLITE SIDE of the store: the file, its locks, its migrations, its copies.

What only one database can do stands here; queries that any database answers stand one folder up.
"""
