"""How passwords and PINs are hashed: Argon2 at a size that eight sign-ins at once can bear."""

from django.contrib.auth.hashers import Argon2PasswordHasher


class ModestArgon2(Argon2PasswordHasher):
    """Argon2id with 19 MiB, two passes, one lane. The library's default takes 100 MB a check."""

    time_cost = 2
    memory_cost = 19 * 1024
    parallelism = 1
