"""Rows of `ops.db` about tablets, by a code that each makes for itself; enrolled or not."""

from django.db import models


class Heard(models.Model):
    """A tablet: when it last spoke, its newest entry's number, how many still wait there."""

    tablet = models.CharField(max_length=16, unique=True)
    device = models.CharField(max_length=40, blank=True)  # its name, where it is enrolled
    station = models.CharField(max_length=40, blank=True)
    at_ms = models.BigIntegerField()
    last = models.PositiveIntegerField(default=0)
    waiting = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ("tablet",)

    def __str__(self) -> str:
        return self.device or self.tablet


class Arrived(models.Model):
    """An entry of a tablet, by its number there, that the site has answered for good."""

    tablet = models.CharField(max_length=16)
    number = models.PositiveIntegerField()

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("tablet", "number"), name="one_arrival_a_number"),
        )

    def __str__(self) -> str:
        return f"{self.tablet} {self.number}"


class ShownHold(models.Model):
    """A hold, by the number of its entry, that a tablet has had on its screen."""

    tablet = models.CharField(max_length=16)
    hold = models.PositiveIntegerField()
    at_ms = models.BigIntegerField()

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("tablet", "hold"), name="one_showing_a_hold"),
        )

    def __str__(self) -> str:
        return f"{self.tablet} {self.hold}"
