"""Under cover: places with their temperatures, batches with their dates, frost and heat."""
