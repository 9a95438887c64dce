"""What several tests share: strategies for seasons and logs, the browser, the real server process."""
