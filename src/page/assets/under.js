// under
