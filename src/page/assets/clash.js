// clash
