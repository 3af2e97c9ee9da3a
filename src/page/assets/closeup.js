// closeup
