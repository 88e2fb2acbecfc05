"""Where the notebook is kept on disk: entries appended, things as they stand beside them."""
