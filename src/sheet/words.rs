//! Every sentence that a welder reads, looked up by key in `templates/words`.
