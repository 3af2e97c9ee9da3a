// help
