"""The Season screen: what a season brought, over weeks, in money, and what another choice would have brought."""
