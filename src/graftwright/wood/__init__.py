"""wood"""
