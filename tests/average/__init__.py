"""Guards the average day: its chances, its programme, its search and its bound."""
