"""The tables: entries as they were written, what each is about, and things as they stand.

`WrittenEntry` is the record: rows are added, never changed, never deleted. The other tables follow
from it and can be made anew at any time.
"""

from django.db import models

from graftwright.store import account_models  # noqa: F401  (so that its tables are known)
from graftwright.tongue import told


class WrittenEntry(models.Model):
    """One entry as it was written down."""

    sequence = models.BigAutoField(primary_key=True)
    entry_id = models.UUIDField(unique=True)
    kind = models.CharField(max_length=60)
    happened_on = models.DateField()
    written_at = models.DateTimeField()
    written_by = models.CharField(max_length=40, blank=True)
    device = models.CharField(max_length=60, blank=True)
    nursery = models.CharField(max_length=80, blank=True)
    target = models.UUIDField(null=True)
    body = models.JSONField()

    class Meta:
        """Indexes for reading by kind, by day, and corrections by what they correct."""

        indexes = [
            models.Index(fields=["kind", "happened_on"], name="entry_kind_day"),
            models.Index(fields=["target"], name="entry_target"),
        ]

    def __str__(self) -> str:
        return told("{kind} on {happened_on}", kind=self.kind, happened_on=self.happened_on)


class EntryAbout(models.Model):
    """Which things an entry is about."""

    entry = models.ForeignKey(WrittenEntry, on_delete=models.PROTECT)
    key = models.CharField(max_length=80)

    class Meta:
        """Each entry once a key."""

        constraints = [models.UniqueConstraint(fields=["key", "entry"], name="about_once")]

    def __str__(self) -> str:
        return self.key


class Standing(models.Model):
    """One thing as it stands, replayed from its entries."""

    key = models.CharField(max_length=80)
    kind = models.CharField(max_length=20)
    season = models.IntegerField(null=True)
    place_code = models.CharField(max_length=5, blank=True)
    state = models.JSONField()

    class Meta:
        """A key names one thing of a kind."""

        constraints = [models.UniqueConstraint(fields=["kind", "key"], name="standing_once")]
        indexes = [models.Index(fields=["kind", "season", "place_code"], name="standing_place")]

    def __str__(self) -> str:
        return f"{self.kind} {self.key}"


class ReadingKept(models.Model):
    """A workbook that was read and waits for the person's word; nothing of it is entered yet."""

    reading_id = models.UUIDField(primary_key=True)
    read_at = models.DateTimeField()
    name = models.CharField(max_length=200)
    body = models.JSONField()

    def __str__(self) -> str:
        return self.name


class PlanKept(models.Model):
    """A forecast kept as it was made, so that results can be held against it later."""

    kept_id = models.UUIDField(primary_key=True)
    kept_at = models.DateTimeField()
    season = models.IntegerField()
    kind = models.CharField(max_length=30)
    body = models.JSONField()

    def __str__(self) -> str:
        return f"{self.kind} {self.season}"


class Token(models.Model):
    """A secret handed out for the programs' address or for a calendar; only its sum is kept."""

    token_id = models.UUIDField(primary_key=True)
    purpose = models.CharField(max_length=20)
    name = models.CharField(max_length=80)
    digest = models.CharField(max_length=64, unique=True)
    may_write = models.BooleanField(default=False)
    made_at = models.DateTimeField()
    used_on = models.DateField(null=True)
    revoked_at = models.DateTimeField(null=True)

    def __str__(self) -> str:
        return f"{self.purpose} {self.name}"
