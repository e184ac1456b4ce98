"""What is known of the produce: its own water, and whether it burns.

Keys are the produce terms of the vocabulary.
"""

from __future__ import annotations

from assistant.declare import Source

USDA = Source("USDA National Nutrient Database SR26 (2013), water per 100 g raw edible part")

WATER = {
    "chilli": 88.02,
    "green-chilli": 87.74,
    "jalapeno": 91.69,
    "sweet-pepper": 92.21,
    "garlic": 58.58,
    "carrot": 88.29,
    "onion": 89.11,
    "mango": 83.46,
    "pineapple": 86.00,
    # from memory of the same database; not seen in a stored copy
    "cabbage": 92.18,
    "cucumber": 95.23,
    "tomato": 94.52,
    "radish": 95.27,
    "cauliflower": 92.07,
    "bean": 90.32,
    "beet": 87.58,
}
"""Water in g per 100 g (USDA NDB 11819, 11670, 11979, 11821, 11215, 11124, 11282, 09176, 09266)."""

SUGAR = {
    "chilli": 5.30,
    "green-chilli": 5.10,
    "jalapeno": 4.12,
    "sweet-pepper": 4.20,
    "garlic": 1.00,
    "carrot": 4.74,
    "onion": 4.24,
    "mango": 13.66,
    "pineapple": 9.85,
    # from memory of the same database; not seen in a stored copy
    "cabbage": 3.20,
    "cucumber": 1.67,
    "tomato": 2.63,
    "radish": 1.86,
    "cauliflower": 1.91,
    "bean": 3.26,
    "beet": 6.76,
}
"""Sugars in g per 100 g, of the same rows."""

HOT = frozenset({"chilli", "green-chilli", "poblano", "jalapeno", "serrano", "cayenne", "thai", "habanero", "superhot"})
"""Produce that burns skin and eyes."""

NAMES = {
    "chilli": "chillies",
    "green-chilli": "green chillies",
    "jalapeno": "jalapenos",
    "poblano": "poblanos",
    "serrano": "serranos",
    "cayenne": "cayennes",
    "thai": "bird's eye chillies",
    "habanero": "habaneros",
    "superhot": "superhot chillies",
    "sweet-pepper": "sweet peppers",
    "cabbage": "cabbage",
    "cucumber": "cucumbers",
    "carrot": "carrots",
    "garlic": "garlic",
    "onion": "onions",
    "mango": "mango",
    "pineapple": "pineapple",
    "tomato": "tomatoes",
    "beet": "beetroot",
    "radish": "radishes",
    "bean": "beans",
    "cauliflower": "cauliflower",
}
"""How answers name the produce."""
