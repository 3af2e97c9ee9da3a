// findings
