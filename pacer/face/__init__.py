"""Everything that is seen and touched. Only this package imports Kivy, and never on import of the package itself."""
