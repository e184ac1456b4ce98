"""The dialogue: readings in, replies out. Pure; the only room where language and trade meet."""
