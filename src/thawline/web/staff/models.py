"""Rows of `ops.db`: rows, not thoughts; what they mean is decided in the other modules."""

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models


class Staff(AbstractBaseUser):
    """Somebody who works here; `name` is how the ledger names them."""

    name = models.CharField(max_length=120, unique=True)
    badge = models.CharField(max_length=40, unique=True)
    is_active = models.BooleanField(default=True)  # Django's name for: may log in

    objects = BaseUserManager["Staff"]()
    USERNAME_FIELD = "name"

    class Meta:
        ordering = ("name",)

    def __str__(self) -> str:
        return self.name


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
