"""The only place that knows Peewee: tables, migrations and every query, behind functions that return frozen values.

May import protocol, rulebook.faults and Peewee. A caller opens one `transaction` or `reading`; nothing reads the clock.
"""

from webapp.store.sqlite.database import close, forget_deleted, init_app, open_store, reading, transaction
from webapp.store.sqlite.unavailable import Unavailable

__all__ = ["Unavailable", "close", "forget_deleted", "init_app", "open_store", "reading", "transaction"]
