"""The words of the screens in other languages: one file a language beside this one."""
