"""Whose leaves and stems: the plant recorded, its neighbours, and plants that differ."""
