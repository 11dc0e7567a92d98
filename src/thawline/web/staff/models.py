"""Rows of `ops.db`: rows, not thoughts; what they mean is decided in the other modules."""

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.utils.crypto import salted_hmac


class Staff(AbstractBaseUser):
    """Somebody who works here; `name` is how the ledger names them."""

    name = models.CharField(max_length=120, unique=True)
    badge = models.CharField(max_length=40, unique=True)
    is_active = models.BooleanField(default=True)  # Django's name for: may log in
    sessions_ended = models.PositiveIntegerField(default=0)  # how often all of them were

    objects = BaseUserManager["Staff"]()
    USERNAME_FIELD = "name"

    class Meta:
        ordering = ("name",)

    def __str__(self) -> str:
        return self.name

    def get_session_auth_hash(self) -> str:
        """Return what a session must carry: it changes when their sessions are ended."""
        told = f"{self.password}:{self.sessions_ended}"
        return salted_hmac("staff.sessions", told, algorithm="sha256").hexdigest()


class SignOff(models.Model):
    """A role that somebody may work in, until when, and who said so."""

    staff = models.ForeignKey(Staff, on_delete=models.CASCADE, related_name="sign_offs")
    role = models.CharField(max_length=40)
    until = models.DateField()
    by = models.CharField(max_length=120)

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("staff", "role"), name="one_sign_off_a_role"),
        )

    def __str__(self) -> str:
        return f"{self.staff_id} {self.role}"


class Tablet(models.Model):
    """A tablet that was enrolled: known by the hash of a secret that only it keeps."""

    name = models.CharField(max_length=40, unique=True)
    station = models.CharField(max_length=40, blank=True)
    secret_hash = models.CharField(max_length=64, unique=True)
    enrolled_at = models.DateTimeField()
    enrolled_by = models.CharField(max_length=120)
    heard_at = models.DateTimeField()
    is_revoked = models.BooleanField(default=False)

    class Meta:
        ordering = ("name",)

    def __str__(self) -> str:
        return self.name


class Code(models.Model):
    """A code that is good once and for minutes: it enrols a tablet, or lets somebody begin."""

    code_hash = models.CharField(max_length=64, unique=True)
    act_id = models.UUIDField(unique=True)  # with the site's pepper the code is made of it
    opens = models.CharField(max_length=20)
    about = models.CharField(max_length=120, blank=True)
    station = models.CharField(max_length=40, blank=True)
    by = models.CharField(max_length=120)
    ends_at = models.DateTimeField()
    is_used = models.BooleanField(default=False)

    def __str__(self) -> str:
        return f"{self.opens} {self.about}"


class OnShift(models.Model):
    """Somebody typed their PIN on a tablet: until the shift ends their badge is enough."""

    staff = models.ForeignKey(Staff, on_delete=models.CASCADE, related_name="shifts")
    tablet = models.ForeignKey(Tablet, on_delete=models.CASCADE, related_name="shifts")
    ends_at = models.DateTimeField()

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("staff", "tablet"), name="one_shift_a_tablet"),
        )

    def __str__(self) -> str:
        return f"{self.staff_id} {self.tablet_id}"


class Missed(models.Model):
    """Wrong PINs or passphrases in a row, by one name from one place."""

    what = models.CharField(max_length=20)
    name_hash = models.CharField(max_length=64)
    place = models.CharField(max_length=60)
    times = models.PositiveIntegerField(default=0)
    again_at = models.DateTimeField(null=True)

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("what", "name_hash", "place"), name="one_count"),
        )

    def __str__(self) -> str:
        return f"{self.what} {self.times}"


class Glass(models.Model):
    """Somebody broke the glass: until when more is theirs, and for what reason."""

    staff = models.ForeignKey(Staff, on_delete=models.CASCADE, related_name="broken")
    reason = models.CharField(max_length=200)
    broken_at = models.DateTimeField()
    ends_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.staff_id} until {self.ends_at}"
