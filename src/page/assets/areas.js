// areas
