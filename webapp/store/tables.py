"""The tables as Peewee sees them; the schema itself is made by the migrations, and a test compares the two."""

from peewee import AutoField, BooleanField, CompositeKey, IntegerField, Model, TextField

from webapp.store.sqlite.database import database


class Table(Model):
    """What all tables share."""

    class Meta:
        """Bind to the one database."""

        database = database


class Fact(Table):
    """Facts about this file, by name."""

    name = TextField(primary_key=True)
    value = TextField()

    class Meta:
        """Name the table."""

        table_name = "meta"


class UserRow(Table):
    """A diver with an account."""

    id = AutoField()
    name = TextField()
    name_key = TextField(unique=True)
    password_hash = TextField()
    created_at = TextField()
    utc_offset_min = IntegerField(default=0)

    class Meta:
        """Name the table."""

        table_name = "user"


class Invitation(Table):
    """An invitation: its token only as a hash, used once."""

    id = AutoField()
    token_hash = TextField(unique=True)
    user_id = IntegerField()
    created_at = TextField()
    used_at = TextField(null=True)


class SignInRow(Table):
    """A sign-in of one browser, which can be ended from elsewhere."""

    id = AutoField()
    token_hash = TextField(unique=True)
    user_id = IntegerField()
    created_at = TextField()
    seen_at = TextField()

    class Meta:
        """Name the table."""

        table_name = "sign_in"


class Season(Table):
    """A season as JSON; at most one of a diver is active."""

    id = AutoField()
    user_id = IntegerField()
    name = TextField()
    raw_json = TextField()
    active = BooleanField(default=False)
    changed_at = TextField()
    deleted = BooleanField(default=False)


class FeedRow(Table):
    """A feed of records: the log of one diver, or what a crew works from; and its last change number."""

    id = AutoField()
    name = TextField(unique=True)
    kind = TextField()
    owner_id = IntegerField()
    seq = IntegerField(default=0)
    made_at = TextField()
    title = TextField(default="")

    class Meta:
        """Name the table."""

        table_name = "feed"


class Member(Table):
    """What another diver may do with a feed."""

    feed_id = IntegerField()
    user_id = IntegerField()
    rights = TextField()
    since = TextField()

    class Meta:
        """Name the key."""

        primary_key = CompositeKey("feed_id", "user_id")


class OfferRow(Table):
    """A link by which another diver gets rights on a feed: its token only as a hash."""

    id = AutoField()
    token_hash = TextField(unique=True)
    feed_id = IntegerField()
    rights = TextField()
    label = TextField()
    made_at = TextField()
    ends_at = TextField()
    used_at = TextField(null=True)

    class Meta:
        """Name the table."""

        table_name = "offer"


class RecordRow(Table):
    """A record as it stands now."""

    feed_id = IntegerField()
    record = TextField()
    kind = TextField()
    fields = TextField()
    revs = TextField()
    writers = TextField()
    rev = IntegerField()
    deleted = BooleanField()
    seq = IntegerField()

    class Meta:
        """Name the table and its key."""

        table_name = "record"
        primary_key = CompositeKey("feed_id", "record")


class Journal(Table):
    """Every operation a phone ever sent, with its answer."""

    id = AutoField()
    feed_id = IntegerField()
    author_id = IntegerField(null=True)
    op = TextField()
    device = TextField()
    counter = IntegerField()
    kind = TextField()
    record = TextField()
    action = TextField()
    fields = TextField()
    base = IntegerField()
    made_at = TextField()
    received_at = TextField()
    status = TextField()
    rev = IntegerField()
    before = TextField()
    after = TextField()
    conflict = TextField()
    faults = TextField()


class Phone(Table):
    """A device that synced, and when it last did."""

    user_id = IntegerField()
    device = TextField()
    first_at = TextField()
    last_at = TextField()

    class Meta:
        """Name the key."""

        primary_key = CompositeKey("user_id", "device")


class ShareLink(Table):
    """A link given to a buddy: its token only as a hash."""

    id = AutoField()
    token_hash = TextField(unique=True)
    user_id = IntegerField()
    label = TextField()
    made_at = TextField()
    seen_at = TextField(null=True)
    revoked = BooleanField(default=False)
    expires_at = TextField(null=True)
    shows_over = BooleanField(default=False)
    shows_crew = BooleanField(default=False)

    class Meta:
        """Name the table."""

        table_name = "share_link"


class WayBack(Table):
    """A way back into an account whose password is lost: its token only as a hash, used once."""

    id = AutoField()
    token_hash = TextField(unique=True)
    user_id = IntegerField()
    kind = TextField()
    made_at = TextField()
    ends_at = TextField(null=True)

    class Meta:
        """Name the table."""

        table_name = "way_back"


class PasskeyRow(Table):
    """A key in a phone or computer that signs a diver in; the server has its public half only."""

    id = AutoField()
    credential = TextField(unique=True)
    user_id = IntegerField()
    public_key = TextField()
    sign_count = IntegerField()
    label = TextField()
    made_at = TextField()
    seen_at = TextField(null=True)

    class Meta:
        """Name the table."""

        table_name = "passkey"


class Happened(Table):
    """What happened with an account."""

    id = AutoField()
    user_id = IntegerField()
    at = TextField()
    what = TextField()


TABLES = (
    Fact, UserRow, Invitation, SignInRow, Season, FeedRow, Member, RecordRow, Journal, Phone, ShareLink, WayBack,
    PasskeyRow, Happened, OfferRow,
)  # fmt: skip
