"""The shop: sheet, punch, die, holder, brake, gauge, cabinet as frozen records with checks."""
