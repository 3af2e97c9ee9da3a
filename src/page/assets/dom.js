// dom
