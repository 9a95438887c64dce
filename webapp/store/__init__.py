"""The only place that knows Peewee: tables, migrations and every query, behind functions that return frozen values.

May import webapp.records.model and Peewee. A caller opens one `transaction` (or `reading`); nothing here asks the time.
"""

from webapp.store.database import close, forget_deleted, init_app, open_store, reading, transaction
from webapp.store.unavailable import Unavailable

__all__ = ["Unavailable", "close", "forget_deleted", "init_app", "open_store", "reading", "transaction"]
