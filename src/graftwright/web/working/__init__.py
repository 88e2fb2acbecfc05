"""Long work that pages need: asked for, watched, stopped, asked for again."""
