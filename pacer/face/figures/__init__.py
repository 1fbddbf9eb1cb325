"""Figures drawn with Kivy."""
