"""Case files: TOML text to frozen records in SI, with every problem placed where it stands."""
