"""What several tests share: strategies for seasons and logs, the browser, the server as a real process."""
