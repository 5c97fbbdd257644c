"""The desk's pages: today, find, scan, help, the API's own pages, and what machines ask for."""
