"""How passphrases are kept: Argon2id; about 20 ms a guess on a site's laptop."""

from django.contrib.auth.hashers import Argon2PasswordHasher


class Passphrases(Argon2PasswordHasher):
    """
    Argon2id with 19 MiB and two passes.

    Source: OWASP, Password Storage Cheat Sheet (m = 19 MiB, t = 2, p = 1).
    """

    time_cost = 2
    memory_cost = 19 * 1024
    parallelism = 1
