"""Study → findings. One file a check; the folder is its subject, the file what it asks."""
