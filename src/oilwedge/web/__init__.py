"""The bench in a browser: a Django project of people, record, pages and shelf."""
